"""The sheet: the plan as it lies on paper, house at the top, yard below."""
