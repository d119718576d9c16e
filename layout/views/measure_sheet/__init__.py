"""The measure sheet: where to put the tape, and boxes for the figures by the names that the project file uses."""
