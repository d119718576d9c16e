"""The kinds of things, one file each: what the project file may say of one, and what it becomes."""
