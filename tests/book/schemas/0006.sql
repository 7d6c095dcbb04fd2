BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0006');
CREATE TABLE asked (
	id VARCHAR(36) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	text TEXT NOT NULL, 
	kind VARCHAR(32) NOT NULL, 
	how VARCHAR(16) NOT NULL, 
	CONSTRAINT pk_asked PRIMARY KEY (id)
);
INSERT INTO "asked" VALUES('73ed4399-f426-47e9-8698-616dcbe3a01d','2026-11-30T08:22:23.466648+00:00','how low does it go','how-low','at once');
CREATE TABLE attachment (
	id VARCHAR(36) NOT NULL, 
	entry VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	media_type VARCHAR(100) NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	size INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	"by" VARCHAR(100) NOT NULL, 
	content BLOB NOT NULL, removed_at VARCHAR(32), removed_by VARCHAR(100), 
	CONSTRAINT pk_attachment PRIMARY KEY (id), 
	CONSTRAINT fk_attachment_entry FOREIGN KEY(entry) REFERENCES entry (id)
);
INSERT INTO "attachment" VALUES('cf327b00-d44f-46d3-810d-be2c7650b769','d7f25188-6297-4563-86a3-f97fa9c83abc','a.jpg','image/jpeg','55c64d0fcd6f9d5f7c828093857e3fdfda68478bb4e9bd24d481ef391c7804e8',5,'2026-11-26T21:58:25.391452+00:00','Ann',X'70686F746F',NULL,NULL);
INSERT INTO "attachment" VALUES('00078da2-4bd5-4ffa-9a0a-08704538da53','d7f25188-6297-4563-86a3-f97fa9c83abc','b.jpg','image/jpeg','51dda46d7c96fcb30abd858467d53b8a74fb486ae37772dbcea2d8b44f057b36',7,'2026-11-26T21:58:25.394083+00:00','Ann',X'626C7572726564','2026-11-26T21:58:25.397903+00:00','Ben');
CREATE TABLE entry (
	id VARCHAR(36) NOT NULL, 
	kind VARCHAR(16) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	belongs_to VARCHAR(36), 
	number INTEGER NOT NULL, 
	removed BOOLEAN NOT NULL, 
	CONSTRAINT pk_entry PRIMARY KEY (id), 
	CONSTRAINT fk_entry_belongs_to FOREIGN KEY(belongs_to) REFERENCES entry (id)
);
INSERT INTO "entry" VALUES('d7f25188-6297-4563-86a3-f97fa9c83abc','car','Brisk 14',NULL,2,0);
INSERT INTO "entry" VALUES('29734959-e52f-4f06-b594-784e2fb4cc59','shop','Demo Workshop',NULL,1,0);
CREATE TABLE printed (
	code VARCHAR(16) NOT NULL, 
	sheet VARCHAR(32) NOT NULL, 
	entry VARCHAR(36) NOT NULL, 
	number INTEGER NOT NULL, 
	owner_number INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	"by" VARCHAR(100) NOT NULL, 
	CONSTRAINT pk_printed PRIMARY KEY (code), 
	CONSTRAINT fk_printed_entry FOREIGN KEY(entry) REFERENCES entry (id), 
	CONSTRAINT uq_printed_entry UNIQUE (entry, number, owner_number, sheet)
);
INSERT INTO "printed" VALUES('FEKPMTV','answer','d7f25188-6297-4563-86a3-f97fa9c83abc',2,0,'2026-11-30T03:49:31.918622+00:00','Ann');
CREATE TABLE promised (
	entry VARCHAR(36) NOT NULL, 
	number INTEGER NOT NULL, 
	owner_number INTEGER NOT NULL, 
	"key" VARCHAR(100) NOT NULL, 
	kind VARCHAR(32) NOT NULL, 
	value DOUBLE NOT NULL, 
	band DOUBLE NOT NULL, 
	widened DOUBLE NOT NULL, 
	layout VARCHAR(64) NOT NULL, 
	sheet VARCHAR(32) NOT NULL, 
	tool VARCHAR(32) NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	"by" VARCHAR(100) NOT NULL, 
	CONSTRAINT pk_promised PRIMARY KEY (entry, number, owner_number, "key"), 
	CONSTRAINT fk_promised_entry FOREIGN KEY(entry) REFERENCES entry (id)
);
INSERT INTO "promised" VALUES('d7f25188-6297-4563-86a3-f97fa9c83abc',2,2,'front.left.height','length',0.31,0.003,1.0,'strut-torsion-bar','set-up','0.1.0','2026-11-30T06:48:04.800148+00:00','Ann');
CREATE TABLE version (
	entry VARCHAR(36) NOT NULL, 
	number INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	"by" VARCHAR(100) NOT NULL, 
	note TEXT NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	belongs_to VARCHAR(36), 
	removed BOOLEAN NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_version PRIMARY KEY (entry, number), 
	CONSTRAINT fk_version_entry FOREIGN KEY(entry) REFERENCES entry (id), 
	CONSTRAINT ck_version_ck_version_counted_from_one CHECK (number > 0)
);
INSERT INTO "version" VALUES('d7f25188-6297-4563-86a3-f97fa9c83abc',1,'2026-11-26T21:58:25.387799+00:00','Ann','','Brisk 14',NULL,0,'first');
INSERT INTO "version" VALUES('d7f25188-6297-4563-86a3-f97fa9c83abc',2,'2026-11-26T21:58:25.396594+00:00','Ben','','Brisk 14',NULL,0,'second');
INSERT INTO "version" VALUES('29734959-e52f-4f06-b594-784e2fb4cc59',1,'2026-11-26T21:58:25.401031+00:00','Ann','','Demo Workshop',NULL,0,'[shop]
name = "Demo Workshop"

[quote]
currency = "EUR"
labour_rate = 72
tax_percent = 20
');
CREATE INDEX ix_entry_kind ON entry (kind);
CREATE INDEX ix_entry_belongs_to ON entry (belongs_to);
CREATE INDEX ix_attachment_entry ON attachment (entry);
CREATE UNIQUE INDEX uq_entry_only_one ON entry (kind) WHERE kind IN ('shop', 'rules', 'phrases') AND NOT removed;
CREATE UNIQUE INDEX uq_entry_quote_number ON entry (name) WHERE kind = 'quote';
CREATE UNIQUE INDEX uq_entry_one_progress ON entry (belongs_to) WHERE kind = 'progress' AND NOT removed;
COMMIT;
