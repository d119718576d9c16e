"""The frozen values that the other folders pass on."""
