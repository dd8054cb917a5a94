-- Numbers are numbers: SQLite keeps infinity as a value (NaN becomes NULL by itself), and it is no reading. A check cannot be added to a table that is there, so a trigger does it.

CREATE TRIGGER entry_is_finite BEFORE INSERT ON entry
    WHEN abs(NEW.value) >= 9e999 OR abs(NEW.temperature_c) >= 9e999 OR abs(NEW.uncertainty) >= 9e999
    BEGIN SELECT RAISE(ABORT, 'a number of a reading is finite'); END;
