"""What a receiver wants to know of a case, worked out once for every way of showing it: words, no layout."""
