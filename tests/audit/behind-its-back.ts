import Database from 'better-sqlite3';

/** Changes a store's file as somebody would who takes its guards off and puts them back. */
export function behindItsBack(path: string, change: (db: Database.Database) => void): void {
  const db = new Database(path);
  db.pragma('synchronous = OFF');
  const guards = db
    .prepare<[], { name: string; sql: string }>("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
    .all();
  for (const { name } of guards) db.exec(`DROP TRIGGER ${name}`);
  change(db);
  for (const { sql } of guards) db.exec(sql);
  db.close();
}
