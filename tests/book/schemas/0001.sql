BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE attachment (
	id VARCHAR(36) NOT NULL, 
	entry VARCHAR(36) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	media_type VARCHAR(100) NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	size INTEGER NOT NULL, 
	at VARCHAR(32) NOT NULL, 
	"by" VARCHAR(100) NOT NULL, 
	content BLOB NOT NULL, 
	CONSTRAINT pk_attachment PRIMARY KEY (id), 
	CONSTRAINT fk_attachment_entry FOREIGN KEY(entry) REFERENCES entry (id)
);
INSERT INTO "attachment" VALUES('bd4984aa-a4a0-41c9-96d2-d87098ebf95d','0753f8b4-28dd-42c5-a014-75a1533d0ce8','a.jpg','image/jpeg','55c64d0fcd6f9d5f7c828093857e3fdfda68478bb4e9bd24d481ef391c7804e8',5,'2026-11-25T18:44:16.530584+00:00','Ann',X'70686F746F');
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
INSERT INTO "entry" VALUES('0753f8b4-28dd-42c5-a014-75a1533d0ce8','car','Brisk 14',NULL,2,0);
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
INSERT INTO "version" VALUES('0753f8b4-28dd-42c5-a014-75a1533d0ce8',1,'2026-11-25T18:44:16.490109+00:00','Ann','','Brisk 14',NULL,0,'first');
INSERT INTO "version" VALUES('0753f8b4-28dd-42c5-a014-75a1533d0ce8',2,'2026-11-25T18:44:16.518262+00:00','Ben','','Brisk 14',NULL,0,'second');
CREATE INDEX ix_entry_kind ON entry (kind);
CREATE INDEX ix_entry_belongs_to ON entry (belongs_to);
CREATE INDEX ix_attachment_entry ON attachment (entry);
COMMIT;
