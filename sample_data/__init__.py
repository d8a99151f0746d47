"""The invented firm: a seeded generator of its files and the truth behind them."""
