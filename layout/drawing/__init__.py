"""Drawings in paper millimetres; they know no vans and no file formats."""
