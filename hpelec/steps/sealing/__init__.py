"""Step sealing: who seals which hole, in which layer, with what, when; and what to buy."""
