"""Facts of the trade, asked as visits."""
