-- Full-text search on PostgreSQL: the entries with a tsvector of their folded words. Words come
-- folded (no capitals, no accents) and contain letters and figures only, so they become lexemes as
-- they are: no dictionary, no parser. The kind is one more lexeme behind U+E000, a letter no text
-- here has.

-- +goose Up
create table search_entry (
	id          bigint not null generated always as identity primary key, -- grows: newer entries have greater ones
	kind        text   not null, -- sitter, sitting, plate
	ref         text   not null, -- the record's id, or a plate's number
	title       text   not null, -- what a list of hits shows
	body        text   not null, -- what a snippet is cut from
	title_words text   not null, -- folded words of the title
	body_words  text   not null, -- folded words of the body
	lexemes     tsvector not null generated always as (array_to_tsvector(array_remove(
		string_to_array(chr(57344) || kind || ' ' || title_words || ' ' || body_words, ' '), ''))) stored,
	unique (kind, ref)
);
create index search_entry_lexemes on search_entry using gin (lexemes);

-- +goose StatementBegin
create function refuse_event_change() returns trigger language plpgsql as $$
begin
	raise exception 'an event is never changed or deleted';
end
$$;
-- +goose StatementEnd

create trigger event_stays before update or delete or truncate on event
	for each statement execute function refuse_event_change();
