"""What people write down on the board: plain forms that work without script."""
