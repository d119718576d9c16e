"""Views: a layout seen from above, from the side and from behind, cut sheets, tables."""
