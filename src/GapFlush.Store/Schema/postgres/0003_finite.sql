-- Numbers are numbers: PostgreSQL keeps "NaN" and "Infinity" as values of their own, and neither is a reading. Both lie at or beyond the ends of its order of numbers.

ALTER TABLE entry ADD CONSTRAINT entry_value_finite CHECK (value > '-Infinity' AND value < 'Infinity') NOT VALID;
ALTER TABLE entry ADD CONSTRAINT entry_temperature_finite CHECK (temperature_c > '-Infinity' AND temperature_c < 'Infinity') NOT VALID;
ALTER TABLE entry ADD CONSTRAINT entry_uncertainty_finite CHECK (uncertainty > '-Infinity' AND uncertainty < 'Infinity') NOT VALID;
