"""The dispatcher's pages: jobs, booking, addresses, the phones' saved queues."""
