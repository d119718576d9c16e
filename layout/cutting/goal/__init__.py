"""The search for a cheaper plan: ruin and recreate on trees of cuts, and covering with the patterns met."""
