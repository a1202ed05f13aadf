"""The options side by side: room, time, money, and the cost so far, row by row."""
