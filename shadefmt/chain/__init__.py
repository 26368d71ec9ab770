"""The chain: one module a link, from spectrum to decision. Every derived value has its one definition here."""
