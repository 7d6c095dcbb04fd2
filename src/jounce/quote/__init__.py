"""What a job costs: quote, order and machining lists, parts by name, the shop's prices."""
