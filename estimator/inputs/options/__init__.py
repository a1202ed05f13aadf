"""Options and variants: what an option is made of, read from one file each."""
