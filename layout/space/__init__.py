"""The free room of a cargo space, exact at every height."""
