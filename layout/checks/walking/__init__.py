"""How people move in the space: the free floor with the doors open, beds and what is in reach of them, ways out."""
