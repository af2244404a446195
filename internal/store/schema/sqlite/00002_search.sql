-- Full-text search on SQLite: the entries, and FTS5 indexes over their folded words that triggers
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

-- Two indexes, since plates are by far the most and a common word must be looked up among all of an
-- index. One column of words, the first of which is the kind behind U+E000, a letter no text has.
create virtual table search_people using fts5 (
	words, content = '', contentless_delete = 1,
	tokenize = 'unicode61 remove_diacritics 0', prefix = '1 2 3'
);

create virtual table search_plate using fts5 (
	words, content = '', contentless_delete = 1,
	tokenize = 'unicode61 remove_diacritics 0', prefix = '1 2 3'
);

-- +goose StatementBegin
create trigger search_people_added after insert on search_entry when new.kind <> 'plate' begin
	insert into search_people (rowid, words)
	values (new.id, char(57344) || new.kind || ' ' || new.title_words || ' ' || new.body_words);
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger search_people_changed after update on search_entry when new.kind <> 'plate'
and (old.title_words <> new.title_words or old.body_words <> new.body_words) begin
	delete from search_people where rowid = old.id;
	insert into search_people (rowid, words)
	values (new.id, char(57344) || new.kind || ' ' || new.title_words || ' ' || new.body_words);
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger search_people_removed after delete on search_entry when old.kind <> 'plate' begin
	delete from search_people where rowid = old.id;
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger search_plate_added after insert on search_entry when new.kind = 'plate' begin
	insert into search_plate (rowid, words)
	values (new.id, char(57344) || new.kind || ' ' || new.title_words || ' ' || new.body_words);
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger search_plate_changed after update on search_entry when new.kind = 'plate'
and (old.title_words <> new.title_words or old.body_words <> new.body_words) begin
	delete from search_plate where rowid = old.id;
	insert into search_plate (rowid, words)
	values (new.id, char(57344) || new.kind || ' ' || new.title_words || ' ' || new.body_words);
end;
-- +goose StatementEnd

-- +goose StatementBegin
create trigger search_plate_removed after delete on search_entry when old.kind = 'plate' begin
	delete from search_plate where rowid = old.id;
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
