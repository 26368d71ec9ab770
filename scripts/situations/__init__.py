"""Stories of practice as small cases; everything in them is invented."""
