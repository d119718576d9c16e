"""Plan the inside of a cargo space: fit, drawings and an edge-to-edge cut list."""

__version__ = "0.1.0"
