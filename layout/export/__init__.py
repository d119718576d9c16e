"""From drawings and rows to the bytes of files, and the bytes into a folder."""
