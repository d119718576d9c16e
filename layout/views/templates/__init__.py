"""Templates at full size for edges that are not straight, on pages that are put together by their register marks."""
