"""What moving parts and room kept free ask of a layout: where they meet something, and how far they get."""
