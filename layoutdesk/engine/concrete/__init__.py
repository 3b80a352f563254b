"""Holes and what fills them: volumes, over-dig, the chance of running short, bags or truck, batches and pours."""
