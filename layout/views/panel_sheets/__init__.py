"""Panel sheets: every panel once, with all that a person needs to mark it out, cut it and drill it."""
