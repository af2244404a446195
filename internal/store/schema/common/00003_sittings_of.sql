-- A sitter's sittings are asked for in the order of their times.

-- +goose Up

create index sitting_sitter_at on sitting (sitter, at_us, id);
drop index sitting_sitter;
