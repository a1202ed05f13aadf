"""What each layer of the check finds: number, height, present denture, bar, width, path, both jaws together."""
