"""The commands: parse, call a job, print, choose the exit code."""
