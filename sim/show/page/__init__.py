"""What every page made here stands in: head, policy, house style, pictures."""
