"""The search for arrangements: asks where things may stand, finds, compares and explains."""
