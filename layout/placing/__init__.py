"""From positions as people say them to coordinates."""
