"""Systems that families of pumps are joined from: each is understood, taught and changed by itself."""
