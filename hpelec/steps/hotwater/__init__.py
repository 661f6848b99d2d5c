"""Step hotwater: mains temperature, flow, power and what arrives when a heater is too small."""
