"""What no plan can do better: numbers that every plan obeys, each with the points that prove it."""
