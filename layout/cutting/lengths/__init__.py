"""Cutting bars to length: battens, profiles, tubes; as cheap as can be proven."""
