"""The rules, one a file: a layout in, findings out; they know nothing of how the layout came to be."""
