"""What is asked of the chain: how much turn there is, what each piece did, what happens if."""
