"""Places from tape measurements: adjusted by least squares, checked against each other. Nothing here knows vans."""
