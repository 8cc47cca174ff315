//! Files that are no sheets, and sheets as nobody would write them.

use super::*;

#[tokio::test]
async fn hostile_files_are_answered_with_a_sentence_and_nothing_breaks() {
    let (site, organiser) = with_water().await;
    let utf16: Vec<u8> = std::iter::once(0xfeff_u16)
        .chain(RESULTS.encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect();
    let long = format!("Name,Weight\n{}", "a,1\n".repeat(100_001));
    let refused: [(&[u8], &str); 6] = [
        (b"", "Choose the file"),
        (b"\x89PNG\r\n\x1a\nxx", "a picture, not CSV"),
        (b"PK\x03\x04zip", "a spreadsheet or a zip archive"),
        (b"   \n  \n", "The file is empty"),
        (b"\x00\x01\x02\x03\x04", "not"),
        (long.as_bytes(), "100"),
    ];
    for (bytes, sentence) in refused {
        let name = if bytes.is_empty() { "" } else { "../../x.csv" };
        let answer = organiser
            .upload(
                "/imports/new",
                &[("kind", "results")],
                ("file", name, bytes),
            )
            .await;
        answer.asks(sentence);
    }
    let taken: [&[u8]; 7] = [
        &utf16,
        b"Name;Weight\nCr\xe9mer;1-0\n",
        b"Name,Name,Weight\na,b,1-0\n",
        b"2019-01-05,Jem,12-8\n2019-01-06,Dot,1-0\n",
        b"Name,Weight\nJem,1-0\nDo",
        b"Name,Weight\n=cmd(),-1\n\"a\nb\",1e9\n@x,NaN\n+1,0x10\n<script>,\xd9\xa4\n",
        "Name,Weight\n\u{202e}evil,12.8\nŁukasz,1.234,5\n".as_bytes(),
    ];
    for bytes in taken {
        let columns = organiser
            .upload(
                "/imports/new",
                &[("kind", "results")],
                ("file", "x.csv", bytes),
            )
            .await
            .taken();
        organiser
            .get(&columns)
            .await
            .shown()
            .does_not_say("<script>,");
        let import = columns.trim_end_matches("/columns");
        for page in [import.to_owned(), format!("{import}/names")] {
            let status = organiser.get(&page).await.status;
            assert!(!status.is_server_error(), "{page}: {status}");
        }
        let nonsense = [
            ("column-0", "angler"),
            ("column-1", "weight"),
            ("hours", "400"),
            ("start", "25:00"),
            ("date", "0001-01-01"),
            ("venue", "' OR 1=1--"),
            ("match_name", "\u{202e}x"),
        ];
        let answer = organiser.submit(&columns, &nonsense).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        answer.says("value=\"400\"").says("value=\"25:00\"");
        organiser
            .submit(&format!("{import}/discard"), &[])
            .await
            .taken();
        assert_eq!(organiser.get(import).await.status, StatusCode::NOT_FOUND);
    }
    let large = vec![b'x'; 2 * 1024 * 1024 + 1];
    let answer = organiser
        .upload(
            "/imports/new",
            &[("kind", "results")],
            ("file", "x.csv", &large),
        )
        .await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    answer.says("The file is too large");
    let cut =
        b"----cut\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x\"\r\n\r\nhalf"
            .to_vec();
    let kind = "multipart/form-data; boundary=--cut";
    let answer = organiser
        .send(axum::http::Method::POST, "/imports/new", cut, kind)
        .await;
    answer.asks("did not arrive whole");
    assert_eq!(
        site.member().await.get("/imports").await.status,
        StatusCode::FORBIDDEN
    );
}
