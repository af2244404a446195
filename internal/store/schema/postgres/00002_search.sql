-- Full-text search on PostgreSQL: the entries with a tsvector of their folded words. Words come
-- folded (no capitals, no accents) and contain letters and figures only, so they become lexemes as
-- they are: no dictionary, no parser. The kind is a lexeme of its own, marked by '='.

-- +goose Up
create table search_entry (
	id          bigint not null generated always as identity primary key, -- grows: newer entries have greater ones
	kind        text   not null, -- sitter, sitting, plate
	ref         text   not null, -- the record's id, or a plate's number
	title       text   not null, -- what a list of hits shows
	body        text   not null, -- what a snippet is cut from
	title_words text   not null, -- folded words of the title
	body_words  text   not null, -- folded words of the body
	lexemes     tsvector not null generated always as (cast(
		'''=' || kind || ''':3D '
		|| regexp_replace(title_words, '(\S+)', '''\1'':1A', 'g') || ' '
		|| regexp_replace(body_words, '(\S+)', '''\1'':2D', 'g') as tsvector)) stored,
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
