"""Which parts to cut from one sheet for the greatest total value, edge to edge, with proof."""
