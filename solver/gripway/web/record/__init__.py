"""Recording on the page: what the microphone of this machine hears, and what comes of it."""
