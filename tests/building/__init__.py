"""Units put together from their pieces, what fastens them, and in which order."""
