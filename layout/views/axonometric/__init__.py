"""The scene as seen from above one corner, hidden lines taken away: bodies, edges, what hides what, the sheets."""
