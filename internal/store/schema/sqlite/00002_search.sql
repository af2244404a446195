-- Full-text search on SQLite: the entries, and an FTS5 index over their folded words that triggers
-- keep in step. Words come folded (no capitals, no accents) and contain letters and figures only.

-- +goose Up
create table search_entry (
	id          integer not null primary key, -- grows: newer entries have greater ones
	kind        text    not null,             -- sitter, sitting, plate
	ref         text    not null,             -- the record's id, or a plate's number
	title       text    not null,             -- what a list of hits shows
	body        text    not null,             -- what a snippet is cut from
	title_words text    not null,             -- folded words of the title
	body_words  text    not null,             -- folded words of the body
	unique (kind, ref)
);

create virtual table search_index using fts5 (
	kind, title_words, body_words,
	content = 'search_entry', content_rowid = 'id',
	tokenize = 'unicode61 remove_diacritics 0', prefix = '2 3'
);

-- +goose StatementBegin
create trigger search_entry_added after insert on search_entry begin
	insert into search_index (rowid, kind, title_words, body_words)
	values (new.id, new.kind, new.title_words, new.body_words);
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger search_entry_changed after update on search_entry
when old.title_words <> new.title_words or old.body_words <> new.body_words begin
	insert into search_index (search_index, rowid, kind, title_words, body_words)
	values ('delete', old.id, old.kind, old.title_words, old.body_words);
	insert into search_index (rowid, kind, title_words, body_words)
	values (new.id, new.kind, new.title_words, new.body_words);
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger search_entry_removed after delete on search_entry begin
	insert into search_index (search_index, rowid, kind, title_words, body_words)
	values ('delete', old.id, old.kind, old.title_words, old.body_words);
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger event_stays before update on event begin
	select raise(abort, 'an event is never changed');
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger event_remains before delete on event begin
	select raise(abort, 'an event is never deleted');
end;
-- +goose StatementEnd
