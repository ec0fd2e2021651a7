"""The flute as an acoustic instrument: two-ports, holes, resonances, what they say of tuning and response."""
