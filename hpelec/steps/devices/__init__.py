"""Step devices: where receptacles, switches, lighting outlets and appliance outlets go, and their boxes."""
