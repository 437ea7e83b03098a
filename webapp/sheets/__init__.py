"""What the company keeps for all its phones: its settings, and a sheet for each model of heater."""
