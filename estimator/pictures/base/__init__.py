"""What every picture is made of: shapes, colours, letters, rulers, rows."""
