//! A client of one connection that stays open, small enough not to be what is measured.

use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
};

pub struct Client {
    stream: TcpStream,
    address: String,
    cookie: String,
    /// Read and not yet used.
    buffer: Vec<u8>,
}

#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    /// As sent, so compressed where that was asked for.
    pub body: Vec<u8>,
}

impl Answer {
    pub fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (known, value) = line.split_once(':')?;
            known.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

impl Client {
    /// `cookie` as the header has it; empty for a visitor.
    pub async fn connect(address: &str, cookie: &str) -> std::io::Result<Self> {
        let stream = TcpStream::connect(address).await?;
        stream.set_nodelay(true)?;
        Ok(Self {
            stream,
            address: address.to_owned(),
            cookie: cookie.to_owned(),
            buffer: Vec::with_capacity(64 * 1024),
        })
    }

    /// Asks for a page as a browser does: compressed.
    pub async fn get(&mut self, path: &str) -> std::io::Result<Answer> {
        self.ask("GET", path, "Accept-Encoding: gzip\r\n", "").await
    }

    /// Asks for a page as it is.
    pub async fn get_plain(&mut self, path: &str) -> std::io::Result<Answer> {
        self.ask("GET", path, "", "").await
    }

    pub async fn post(&mut self, path: &str, form: &str) -> std::io::Result<Answer> {
        let headers = format!(
            "Origin: http://{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n",
            self.address,
            form.len()
        );
        self.ask("POST", path, &headers, form).await
    }

    async fn ask(
        &mut self,
        method: &str,
        path: &str,
        headers: &str,
        body: &str,
    ) -> std::io::Result<Answer> {
        let cookie = match self.cookie.as_str() {
            "" => String::new(),
            cookie => format!("Cookie: {cookie}\r\n"),
        };
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\n{cookie}{headers}\r\n{body}",
            self.address
        );
        self.stream.write_all(request.as_bytes()).await?;
        self.answer().await
    }

    async fn answer(&mut self) -> std::io::Result<Answer> {
        let end = loop {
            if let Some(at) = find(&self.buffer, b"\r\n\r\n") {
                break at + 4;
            }
            self.more().await?;
        };
        let head = String::from_utf8_lossy(&self.buffer[..end]).into_owned();
        self.buffer.drain(..end);
        let status = head.get(9..12).and_then(|digits| digits.parse().ok());
        let mut answer = Answer {
            status: status.ok_or_else(|| std::io::Error::other("no status line"))?,
            head,
            body: Vec::new(),
        };
        answer.body = match answer.header("content-length") {
            Some(length) => {
                let length = length.parse().map_err(std::io::Error::other)?;
                self.take(length).await?
            }
            None if answer.header("transfer-encoding") == Some("chunked") => self.chunks().await?,
            None => Vec::new(),
        };
        Ok(answer)
    }

    async fn chunks(&mut self) -> std::io::Result<Vec<u8>> {
        let mut body = Vec::new();
        loop {
            let end = loop {
                if let Some(at) = find(&self.buffer, b"\r\n") {
                    break at;
                }
                self.more().await?;
            };
            let digits = String::from_utf8_lossy(&self.buffer[..end]).into_owned();
            let length = usize::from_str_radix(&digits, 16).map_err(std::io::Error::other)?;
            self.buffer.drain(..end + 2);
            body.extend(self.take(length).await?);
            self.take(2).await?;
            if length == 0 {
                return Ok(body);
            }
        }
    }

    async fn take(&mut self, length: usize) -> std::io::Result<Vec<u8>> {
        while self.buffer.len() < length {
            self.more().await?;
        }
        Ok(self.buffer.drain(..length).collect())
    }

    async fn more(&mut self) -> std::io::Result<()> {
        match self.stream.read_buf(&mut self.buffer).await? {
            0 => Err(std::io::ErrorKind::UnexpectedEof.into()),
            _ => Ok(()),
        }
    }
}

fn find(within: &[u8], what: &[u8]) -> Option<usize> {
    within.windows(what.len()).position(|part| part == what)
}
