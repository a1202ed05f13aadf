"""Charts on the screen: drawings made of shapes, and Altair charts of cost over the years, spread and swings."""
