PRAGMA application_id = 1986817895;
PRAGMA journal_mode = WAL;
BEGIN TRANSACTION;
CREATE TABLE audio (
	sha256 TEXT NOT NULL, 
	suffix TEXT NOT NULL, 
	bytes BIGINT NOT NULL, 
	PRIMARY KEY (sha256)
);
CREATE TABLE change (
	id INTEGER NOT NULL, 
	record_id INTEGER NOT NULL, 
	kind TEXT NOT NULL, 
	at TEXT NOT NULL, 
	field TEXT, 
	old TEXT NOT NULL, 
	new TEXT NOT NULL, 
	memo_id INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(record_id) REFERENCES record (id), 
	FOREIGN KEY(memo_id) REFERENCES memo (id)
);
INSERT INTO "change" VALUES(1,1,'correct','2027-05-04T08:12:00-02:30','count','9','12',2);
CREATE TABLE memo (
	id INTEGER NOT NULL, 
	said BIGINT NOT NULL, 
	said_at TEXT NOT NULL, 
	text TEXT NOT NULL, 
	source TEXT NOT NULL, 
	transcript TEXT, 
	audio TEXT, 
	PRIMARY KEY (id), 
	FOREIGN KEY(audio) REFERENCES audio (sha256)
);
INSERT INTO "memo" VALUES(1,1809427200000000,'2027-05-04T08:10:00-02:30','nine eggs','typed',NULL,NULL);
INSERT INTO "memo" VALUES(2,1809427320000000,'2027-05-04T08:12:00-02:30','make that twelve','typed',NULL,NULL);
CREATE TABLE parse (
	id INTEGER NOT NULL, 
	memo_id INTEGER NOT NULL, 
	parser TEXT NOT NULL, 
	body TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(memo_id) REFERENCES memo (id)
);
INSERT INTO "parse" VALUES(1,1,'1','{"now":"2027-05-04T08:10:00-02:30","records":[{"kind":"eggs","status":"done","when":{"from":"2027-05-04T08:10:00-02:30","to":"2027-05-04T08:10:00-02:30","precision":"minute"},"when_said":null,"place":"hill pen","flock":null,"birds":["Juno"],"slots":{"count":9},"text":"nine eggs","certainty":0.9,"doubts":[],"by":null}],"questions":[],"instructions":[],"unused":[]}');
INSERT INTO "parse" VALUES(2,2,'1','{"now":"2027-05-04T08:12:00-02:30","records":[],"questions":[],"instructions":[{"text":"make that twelve","action":"correct","slot":null,"value":12,"kind":null,"ordinal":null}],"unused":[]}');
CREATE TABLE record (
	id INTEGER NOT NULL, 
	memo_id INTEGER NOT NULL, 
	parse_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(memo_id) REFERENCES memo (id), 
	FOREIGN KEY(parse_id) REFERENCES parse (id)
);
INSERT INTO "record" VALUES(1,1,1,0);
CREATE TABLE standing (
	record_id INTEGER NOT NULL, 
	revision INTEGER NOT NULL, 
	memo_id INTEGER NOT NULL, 
	said_at TEXT NOT NULL, 
	since BIGINT NOT NULL, 
	until BIGINT NOT NULL, 
	begins BIGINT NOT NULL, 
	kind TEXT NOT NULL, 
	status TEXT NOT NULL, 
	place TEXT, 
	flock TEXT, 
	words TEXT NOT NULL, 
	withdrawn BOOLEAN NOT NULL, 
	confirmed BOOLEAN NOT NULL, 
	corrected TEXT NOT NULL, 
	body TEXT NOT NULL, 
	PRIMARY KEY (record_id, revision), 
	FOREIGN KEY(record_id) REFERENCES record (id), 
	FOREIGN KEY(memo_id) REFERENCES memo (id)
);
INSERT INTO "standing" VALUES(1,0,1,'2027-05-04T08:10:00-02:30',1809427200000000,1809427320000000,1809427200000000,'eggs','done','hill pen',NULL,'nine eggs',0,0,'[]','{"kind":"eggs","status":"done","when":{"from":"2027-05-04T08:10:00-02:30","to":"2027-05-04T08:10:00-02:30","precision":"minute"},"when_said":null,"place":"hill pen","flock":null,"birds":["Juno"],"slots":{"count":9},"text":"nine eggs","certainty":0.9,"doubts":[],"by":null}');
INSERT INTO "standing" VALUES(1,1,1,'2027-05-04T08:10:00-02:30',1809427320000000,9223372036854775807,1809427200000000,'eggs','done','hill pen',NULL,'nine eggs',0,0,'["count"]','{"kind":"eggs","status":"done","when":{"from":"2027-05-04T08:10:00-02:30","to":"2027-05-04T08:10:00-02:30","precision":"minute"},"when_said":null,"place":"hill pen","flock":null,"birds":["Juno"],"slots":{"count":12},"text":"nine eggs","certainty":0.9,"doubts":[],"by":null}');
CREATE TABLE standing_bird (
	record_id BIGINT NOT NULL, 
	revision INTEGER NOT NULL, 
	bird TEXT NOT NULL, 
	PRIMARY KEY (record_id, revision, bird), 
	CONSTRAINT fk_standing_bird FOREIGN KEY(record_id, revision) REFERENCES standing (record_id, revision) ON DELETE CASCADE
)
 WITHOUT ROWID

;
INSERT INTO "standing_bird" VALUES(1,0,'juno');
INSERT INTO "standing_bird" VALUES(1,1,'juno');
CREATE TABLE standing_slot (
	record_id BIGINT NOT NULL, 
	revision INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	number DOUBLE, 
	text TEXT, 
	unit TEXT, 
	PRIMARY KEY (record_id, revision, name), 
	CONSTRAINT fk_standing_slot FOREIGN KEY(record_id, revision) REFERENCES standing (record_id, revision) ON DELETE CASCADE
)
 WITHOUT ROWID

;
INSERT INTO "standing_slot" VALUES(1,0,'count',9.0,NULL,NULL);
INSERT INTO "standing_slot" VALUES(1,1,'count',12.0,NULL,NULL);
CREATE TABLE superseded (
	record_id INTEGER NOT NULL, 
	parse_id INTEGER NOT NULL, 
	PRIMARY KEY (record_id), 
	FOREIGN KEY(record_id) REFERENCES record (id), 
	FOREIGN KEY(parse_id) REFERENCES parse (id)
);
CREATE TABLE voicelog_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT voicelog_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "voicelog_version" VALUES('0001');
CREATE INDEX ix_memo_said ON memo (said);
CREATE INDEX ix_parse_memo ON parse (memo_id);
CREATE INDEX ix_record_memo ON record (memo_id);
CREATE UNIQUE INDEX ix_record_parse ON record (parse_id, position);
CREATE INDEX ix_change_record ON change (record_id);
CREATE INDEX ix_change_memo ON change (memo_id);
CREATE INDEX ix_standing_memo ON standing (memo_id);
CREATE INDEX ix_standing_begins ON standing (begins);
CREATE INDEX ix_standing_kind ON standing (kind, begins, since, until, withdrawn, status, place, flock, record_id, revision);
CREATE INDEX ix_standing_place ON standing (kind, place, begins, since, until, withdrawn, status);
CREATE INDEX ix_standing_slot_value ON standing_slot (name, text, number);
CREATE INDEX ix_standing_bird_name ON standing_bird (bird);
CREATE TRIGGER audio_no_update BEFORE UPDATE ON audio BEGIN SELECT RAISE(ABORT, 'rows of audio are kept for good'); END;
CREATE TRIGGER audio_no_delete BEFORE DELETE ON audio BEGIN SELECT RAISE(ABORT, 'rows of audio are kept for good'); END;
CREATE TRIGGER audio_no_replace BEFORE INSERT ON audio WHEN EXISTS (SELECT 1 FROM audio WHERE sha256 = NEW.sha256) BEGIN SELECT RAISE(ABORT, 'rows of audio are kept for good'); END;
CREATE TRIGGER memo_no_update BEFORE UPDATE ON memo BEGIN SELECT RAISE(ABORT, 'rows of memo are kept for good'); END;
CREATE TRIGGER memo_no_delete BEFORE DELETE ON memo BEGIN SELECT RAISE(ABORT, 'rows of memo are kept for good'); END;
CREATE TRIGGER memo_no_replace BEFORE INSERT ON memo WHEN EXISTS (SELECT 1 FROM memo WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'rows of memo are kept for good'); END;
CREATE TRIGGER parse_no_update BEFORE UPDATE ON parse BEGIN SELECT RAISE(ABORT, 'rows of parse are kept for good'); END;
CREATE TRIGGER parse_no_delete BEFORE DELETE ON parse BEGIN SELECT RAISE(ABORT, 'rows of parse are kept for good'); END;
CREATE TRIGGER parse_no_replace BEFORE INSERT ON parse WHEN EXISTS (SELECT 1 FROM parse WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'rows of parse are kept for good'); END;
CREATE TRIGGER record_no_update BEFORE UPDATE ON record BEGIN SELECT RAISE(ABORT, 'rows of record are kept for good'); END;
CREATE TRIGGER record_no_delete BEFORE DELETE ON record BEGIN SELECT RAISE(ABORT, 'rows of record are kept for good'); END;
CREATE TRIGGER record_no_replace BEFORE INSERT ON record WHEN EXISTS (SELECT 1 FROM record WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'rows of record are kept for good'); END;
CREATE TRIGGER superseded_no_update BEFORE UPDATE ON superseded BEGIN SELECT RAISE(ABORT, 'rows of superseded are kept for good'); END;
CREATE TRIGGER superseded_no_delete BEFORE DELETE ON superseded BEGIN SELECT RAISE(ABORT, 'rows of superseded are kept for good'); END;
CREATE TRIGGER superseded_no_replace BEFORE INSERT ON superseded WHEN EXISTS (SELECT 1 FROM superseded WHERE record_id = NEW.record_id) BEGIN SELECT RAISE(ABORT, 'rows of superseded are kept for good'); END;
CREATE TRIGGER change_no_update BEFORE UPDATE ON change BEGIN SELECT RAISE(ABORT, 'rows of change are kept for good'); END;
CREATE TRIGGER change_no_delete BEFORE DELETE ON change BEGIN SELECT RAISE(ABORT, 'rows of change are kept for good'); END;
CREATE TRIGGER change_no_replace BEFORE INSERT ON change WHEN EXISTS (SELECT 1 FROM change WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'rows of change are kept for good'); END;
COMMIT;
