"""Who swings and what is asked: body, address, pieces, and the published figures behind them."""
