"""Charts on the screen: shapes as Vega-Lite."""
