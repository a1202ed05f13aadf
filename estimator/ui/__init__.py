"""The screens: entry, navigation and the look of the app."""
