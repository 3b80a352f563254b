"""Steel in piers: sizes of bars, bars on a circle, cover, hooks, hoops, laps, counts and masses."""
