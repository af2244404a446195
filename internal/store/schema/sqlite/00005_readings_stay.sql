-- A lens's readings are only ever added.

-- +goose Up

-- +goose StatementBegin
create trigger lens_reading_stays before update on lens_reading begin
	select raise(abort, 'a reading is never changed');
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger lens_reading_remains before delete on lens_reading begin
	select raise(abort, 'a reading is never deleted');
end;
-- +goose StatementEnd
