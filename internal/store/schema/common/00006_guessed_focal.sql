-- A lens without a figure on it is written down with a guess, until the bench has measured it.

-- +goose Up

alter table lens add column focal_guessed boolean not null default false; -- focal_mm is a guess, neither engraved nor measured
