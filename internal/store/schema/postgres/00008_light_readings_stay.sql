-- What was found of flash rigs and of the plates' speed is only ever added.

-- +goose Up

create trigger rig_reading_stays before update or delete or truncate on rig_reading
	for each statement execute function refuse_reading_change();
create trigger speed_found_stays before update or delete or truncate on speed_found
	for each statement execute function refuse_reading_change();
