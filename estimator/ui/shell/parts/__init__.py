"""What several pages are made of: where a number comes from, fields of a declared list, the language of papers."""
