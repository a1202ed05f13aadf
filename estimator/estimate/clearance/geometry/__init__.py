"""The jaw seen from above and its implants in space: the curve of the crest, chords, axes, the bar."""
