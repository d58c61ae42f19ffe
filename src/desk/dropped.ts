/** What was dropped onto the page: files, and those within folders. */

/** In Chromium, only this opens folders for a page from a disk; its types are not published yet. */
interface DroppedItem extends DataTransferItem {
  getAsFileSystemHandle?(): Promise<FileSystemHandle | null>;
}
type FolderHandle = FileSystemDirectoryHandle & { values(): AsyncIterable<FileSystemHandle> };

/**
 * Call it during the drop event: afterwards the browser forgets what was dropped.
 *
 * @param most  so many files are enough
 * @returns fails where the browser does not let the page into a folder
 */
export async function droppedFiles(dropped: DataTransfer, most: number): Promise<File[]> {
  const items = ([...dropped.items] as DroppedItem[]).filter(({ kind }) => kind === "file");
  const entries = items.map((item) => item.webkitGetAsEntry?.() ?? null);
  if (!entries.some((entry) => entry?.isDirectory === true)) return [...dropped.files];
  const handles = items.map((item) => item.getAsFileSystemHandle?.() ?? null);
  const found: File[] = [];
  for (const [index, entry] of entries.entries()) {
    const handle = await handles[index];
    if (handle) await takeHandle(handle, found, most);
    else if (entry !== null) await takeEntry(entry, found, most);
  }
  return found;
}

async function takeHandle(handle: FileSystemHandle, found: File[], most: number): Promise<void> {
  if (handle.kind === "file") found.push(await (handle as FileSystemFileHandle).getFile());
  else
    for await (const one of (handle as FolderHandle).values()) {
      if (found.length > most) return;
      await takeHandle(one, found, most);
    }
}

async function takeEntry(entry: FileSystemEntry, found: File[], most: number): Promise<void> {
  if (entry.isFile) {
    found.push(await new Promise((done, failed) => (entry as FileSystemFileEntry).file(done, failed)));
    return;
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((done, failed) => reader.readEntries(done, failed));
    if (some.length === 0 || found.length > most) return;
    for (const one of some) await takeEntry(one, found, most);
  }
}
