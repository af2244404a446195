-- What was found of flash rigs and of the plates' speed is only ever added.

-- +goose Up

-- +goose StatementBegin
create trigger rig_reading_stays before update on rig_reading begin
	select raise(abort, 'a reading is never changed');
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger rig_reading_remains before delete on rig_reading begin
	select raise(abort, 'a reading is never deleted');
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger speed_found_stays before update on speed_found begin
	select raise(abort, 'a found speed is never changed');
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger speed_found_remains before delete on speed_found begin
	select raise(abort, 'a found speed is never deleted');
end;
-- +goose StatementEnd
