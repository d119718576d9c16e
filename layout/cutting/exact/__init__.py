"""Small jobs, and jobs of large parts, to the end: every set of parts that one sheet can yield."""
