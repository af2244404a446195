-- A lens's readings are only ever added.

-- +goose Up

-- +goose StatementBegin
create function refuse_reading_change() returns trigger language plpgsql as $$
begin
	raise exception 'a reading is never changed or deleted';
end
$$;
-- +goose StatementEnd

create trigger lens_reading_stays before update or delete or truncate on lens_reading
	for each statement execute function refuse_reading_change();
