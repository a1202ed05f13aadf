"""What several pages are made of: where a number comes from, declared fields, who signs, the language of papers."""
