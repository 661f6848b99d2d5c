"""Step loads: what the house draws by the code's methods, line by line."""
