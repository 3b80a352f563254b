"""Foreign files to proposals that the person confirms."""
