"""The dressed figure: clothes, hair, face, shoes, hands and club."""
