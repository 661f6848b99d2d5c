"""Step service: from the design load to rating, conductors and the lateral's voltage drop."""
