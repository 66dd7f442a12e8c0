"""The shop's rules: which source serves which part, how it may be cut, turned and carried, what its rest earns."""
