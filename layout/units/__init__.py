"""Text with units in, millimetres and kilograms inside, text with units out."""
