"""Pictures drawn and labelled, shard by shard."""
