"""What is built: units held against what they promise, fixings counted, steps, offsets, what it costs."""
