"""What every page stands in: entry, navigation, what one tab holds, what was typed, how things are shown."""
